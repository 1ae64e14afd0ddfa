"""The axle's travel and the torque on it: where it is, the row that moves it, and the curves over it."""
