"""Why it went wrong: the record held against what each cause of a defect would have left in it."""
