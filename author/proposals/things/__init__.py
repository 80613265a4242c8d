"""Parts, tools and supplies that are named, one entry for each however it is named."""
