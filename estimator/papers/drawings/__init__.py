"""Drawings to scale, as SVG sheets of A4: walls, roof planes, the circuit, the routes of cables.

    EstimateJson ─> one module a drawing ─> Page (frame, title block, legend, dimensions) ─> SVG

Every distance comes from the estimate; a drawing only brings it to paper. A sheet is black on white
and reads without colour: what things are is told by line, hatching and words. User units of the
SVG are millimetres of paper; `data-what` names what a shape is, and `data-scale` of the root says
how many millimetres of the house one of them is.

Not here: what goes where (`estimator.design`), the order of a pack of papers.
"""
