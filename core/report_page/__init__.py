"""The report page in words: what a reader must know beside picture and table."""
