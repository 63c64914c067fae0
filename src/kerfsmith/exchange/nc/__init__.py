"""NC files of the open DSTV standard, one part a file, read as lines of an order.

Source: Deutscher Stahlbau-Verband, "Standard description for steel structure pieces for the numerical
controls", 7th edition, July 1998. Only its header (block ST) and the ends of outer contours (AK) matter for
sawing; holes, marks, copes and bends are told and left to the machines that make them.
"""
