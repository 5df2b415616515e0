"""What the loads do: to teeth, shafts, bearings, plates and screws; every rating with formula, source and limit."""
