"""The generator of the two sample recordings (see README.md beside this file).

Importing the package costs nothing: heavy libraries are imported by the modules that draw.
"""
