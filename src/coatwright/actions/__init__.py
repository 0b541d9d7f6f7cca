"""What a person does: one function each, and the only place where files meet plans."""
