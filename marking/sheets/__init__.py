"""Pages: paper, blocks, headers, rulers, and what sheets share."""
