"""The measurements: sections in the order of measuring, each entry a row, and where the gauge or tape goes."""
