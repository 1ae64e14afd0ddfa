"""What is measured, in which order, and what is still wanted: one answer for form, findings, drawing and sheet."""
