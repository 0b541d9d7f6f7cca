"""A day planned anew once it has begun: what happened, and what can no longer be kept."""
