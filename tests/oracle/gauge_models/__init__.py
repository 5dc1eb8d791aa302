"""The gauges worked out a second time, from geometry and mechanics, by other numerical routes than the program's.

A model is a function from readings (SI) to figures. Nothing here was read off the program but what each reading
means and what each figure is called. Left counts as positive, along the conveyor from tail to head.
"""
