"""Papers for the bench: the measuring card, and the order for the shaft's builder.

A page is a `Page` of `app.drawing`, painted by its painter in a file, on a printer and in the preview alike; paper,
margins, type and lines are those of `app.sheet`. Each paper is imported by itself.
"""
