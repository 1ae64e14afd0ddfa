"""A build over a range of one of its entries: from where to where it is clear, caution or hold."""
