"""The window round it all: menus, start page, foot, and what leaves for paper and files."""
