"""Looking things over: what happened, what lies where, what the gauges say, trade words."""
