"""What a job needs, costs and earned: from survey notes to bill, hours, price and papers."""
