"""Questions that are answered by assessing a plan many times with one figure changed."""
