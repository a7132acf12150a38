"""From a jar to weighed wax, oil, wick, cost and cautions: `make_plan(PlanRequest(...), load_tables())`."""
