"""Changes of a plan that a page makes without anyone typing YAML: text and plan in, edits out."""
