"""The window and its panes: Qt lives here and nowhere else."""
