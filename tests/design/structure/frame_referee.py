"""A bracket solved by a general stiffness program, as a referee for the program's own statics."""

from __future__ import annotations

from anastruct import SystemElements


def bracket_reactions(
    weight_n: float, reach_m: float, height_m: float, at: float
) -> tuple[float, float]:
    """Solve an upright on a roller at the top and a pin at its foot, with an arm part of the way.

    A T-shaped frame: the arm leaves the upright at a share `at` of its height, and the weight
    hangs at its end. Returns the pull of the roller, away from the wall, and the whole shear.
    """
    frame = SystemElements(EI=1e4, EA=1e9)
    joint = [0, height_m * at]
    frame.add_element(location=[[0, 0], joint])
    frame.add_element(location=[joint, [0, height_m]])
    frame.add_element(location=[joint, [reach_m, height_m * at]])
    foot = frame.find_node_id([0, 0])
    frame.add_support_hinged(foot)
    top = frame.find_node_id([0, height_m])
    frame.add_support_roll(top, direction="y")
    frame.point_load(frame.find_node_id([reach_m, height_m * at]), Fy=-weight_n)
    frame.solve()
    pull = abs(float(frame.get_node_results_system(node_id=top)["Fx"]))
    shear = sum(abs(float(frame.get_node_results_system(node_id=node)["Fy"]))
                for node in (foot, top))
    return pull, shear
