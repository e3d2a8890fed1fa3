"""A brake circuit without a car, step by step, recorded."""
