"""Connection to the network: the sum per phase, the route, its papers and their dates.

`phases` adds up what generates; `route` chooses the way to the network; `papers` holds what is
sent and when; `calendar` counts working days. Check values: the network operator decides.
"""
