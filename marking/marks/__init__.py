"""Where marks lie and how well they are read; knows nothing of paper."""
