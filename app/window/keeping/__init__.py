"""Nothing lost: files, copies of what is not saved, the questions about both, and what happens when all goes wrong."""
