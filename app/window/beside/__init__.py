"""Two builds side by side: the one in the window, and a plan that is kept beside it."""
