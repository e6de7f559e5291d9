"""A folder of lessons as a course: `facts` of each, its `difficulty`, and `ordering` of them all."""
