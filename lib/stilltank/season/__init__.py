"""One tank, one season: the plan and its file."""
