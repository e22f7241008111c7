"""The world by hand with bodies round corners of a bay: changes that are set before a value of an edge is moved."""

from optimiser import case as c
from tests import handmade

OTHER_WALL = c.Board(
    bay="locker", name="side", kind="wall", length_mm=600, width_mm=400, depth_mm=100, reach=True, sight=True
)
ROW_ON_THE_OTHER_WALL = (
    ("boards", (*handmade.case().boards, OTHER_WALL)),
    ("fitted.fuse_row.board", "locker.side"),
    ("fitted.fuse_row.y_mm", 50),
)
WALL_ON_THE_LEFT = (("boards.wall.face", "left"), ("boards.wall.left_mm", 0), ("boards.wall.bottom_mm", 0))
ROW_ROUND_THE_CORNER = (  # the other wall is the rear one, 600 wide, measured from the right wall of the locker
    *ROW_ON_THE_OTHER_WALL,
    ("boards", (*handmade.case().boards, OTHER_WALL.model_copy(update={"face": "rear", "left_mm": 0, "bottom_mm": 0}))),
    *WALL_ON_THE_LEFT,
)
AT_THE_REAR = {"face": "rear", "left_mm": 280, "bottom_mm": 0}
FUSE_ROUND_THE_CORNER = (  # on the rear wall of the box, 280 from its right wall; its floor from that corner on
    ("boards", (*handmade.case().boards, OTHER_WALL.model_copy(update={"bay": "box", "name": "shelf", **AT_THE_REAR}))),
    *(("boards.floor.face", "floor"), ("boards.floor.left_mm", 0), ("boards.floor.bottom_mm", 0)),
    *(("fitted.main_fuse.board", "box.shelf"), ("fitted.main_fuse.x_mm", 20), ("fitted.main_fuse.y_mm", 20)),
)
MUCH_DROP = (("rules.drop_share", 0.2), ("rules.drop_share_inverter", 0.2))
HOLE_FROM_160 = (  # 10 to either side of it, in the locker's left wall
    *WALL_ON_THE_LEFT,
    (
        "cable_openings",
        (c.CableOpening(way="roof_way", bay="locker", face="left", left_mm=170, bottom_mm=100, bore_mm=20),),
    ),
    *MUCH_DROP,
)
BEFORE_THE_BOX = (  # the locker's wall is its left one; the switch stands on its floor, before the mains box
    (
        "boards",
        (
            *handmade.case().boards,
            c.Board(
                bay="locker",
                name="floor_of_locker",
                kind="floor",
                length_mm=1000,
                width_mm=600,
                depth_mm=300,
                reach=True,
                sight=True,
                face="floor",
                left_mm=0,
                bottom_mm=0,
            ),
        ),
    ),
    *WALL_ON_THE_LEFT,
    *(("fitted.switch.board", "locker.floor_of_locker"), ("fitted.switch.x_mm", 650)),
)
