"""Paint and money: what a job takes, how it is mixed and batched, bought, and what it costs.

Demand (area, product, coat)  -> quantity -> ProductNeed with batches (mixsheet, batching)
ProductNeed                   -> buying   -> Purchase, consumables
Purchase, consumables, hours  -> cost     -> Cost
"""
