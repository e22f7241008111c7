"""Edges of the roof."""

from tests.edge import Edge

ROOF = [  # panels at x 600..1600 and 1630..2630, y 200..710, on 500..3500 by -900..900
    Edge("roof.inside[roof]", "panels.0.x_mm", 500, 499),
    Edge("roof.inside[roof]", "panels.0.rotated", False, True, given=(("panels.0.y_mm", 390),)),
    Edge("roof.overlap[roof]", "panels.1.x_mm", 1600, 1599),
    Edge("roof.panel_gap[roof]", "panels.1.x_mm", 1625, 1624),
    Edge("roof.set_back[roof]", "panels.0.x_mm", 550, 549),
    Edge("roof.set_back[roof]", "panels.0.y_mm", 340, 341),  # 900 - 510 - 50
    Edge("roof.front_set_back[roof]", "panels.1.x_mm", 2400, 2401),  # 3500 - 1000 - 100
    Edge("roof.body[hatch]", "panels.1.y_mm", -200, -201),
    Edge("roof.obstacle[hatch]", "obstacles.hatch.clear_mm", 400, 401),  # hatch up to y -200
    Edge("roof.lid[hatch]", "obstacles.hatch.lid_reach_mm", 400, 401),
    Edge("roof.shadow[hatch]", "obstacles.hatch.height_mm", 400, 401),  # tan 45 = 1
    Edge("roof.walkway[roof]", "zones.roof.walkway_mm", 1100, 1101),
    Edge("roof.mass[roof]", "zones.roof.mass_max_kg", 2.0, 1.999),  # 2 x (0.5 + 0.5)
    Edge("roof.crown[roof]", "zones.roof.crown_mm", 373, 374),  # 510^2 x crown / 1800^2 against 30
    # 1800^2 / (8 x 30)
    Edge("roof.bend[roof]", "parts.panel-100.bend_radius_mm", 13500, 13501, (("parts.panel-100.kind", "flexible"),)),
    Edge("roof.rigid[roof]", "zones.roof.rigid", True, False),
]
