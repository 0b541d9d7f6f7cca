"""What a person does: one function each; the only place that knows plan and record alike."""
