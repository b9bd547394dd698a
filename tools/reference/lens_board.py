"""Reference figures for test/published/lens.test.ts: cv2.calibrateCamera on a synthetic flat board.

Run with Python 3, numpy and OpenCV (made with OpenCV 4.6.0); prints the lens that OpenCV finds. The picked points carry the
pseudo-noise 0.5 (((37 n) mod 101)/101 - 1/2, ((53 n) mod 103)/103 - 1/2) px, n = 1, 2, ... over all points of all views, so that any
language can rebuild them. One focal length for both axes, no third radial term. Nothing here is needed to run the program.
"""

import cv2
import numpy as np

F, C, D = 1400.0, (955.0, 548.0), np.array([-0.21, 0.09, 0.0007, -0.0004, 0.0])
POSES = [  # rotation vector (rad), translation (m)
    ([0.00, 0.00, 0.02], [-0.40, -0.28, 1.20]),
    ([0.45, 0.10, -0.05], [-0.35, -0.20, 1.10]),
    ([-0.40, 0.15, 0.10], [-0.45, -0.30, 1.25]),
    ([0.10, 0.50, 0.00], [-0.30, -0.25, 1.00]),
    ([-0.05, -0.45, 0.15], [-0.45, -0.22, 1.30]),
    ([0.30, -0.35, -0.20], [-0.38, -0.15, 1.15]),
]
BOARD = np.array([[0.08 * i, 0.08 * j, 0.0] for j in range(7) for i in range(10)])


def main():
    K = np.array([[F, 0, C[0]], [0, F, C[1]], [0, 0, 1.0]])
    views, n = [], 0
    for r, t in POSES:
        p, _ = cv2.projectPoints(BOARD, np.array(r), np.array(t), K, D)
        p = p.reshape(-1, 2)
        k = n + np.arange(1, len(p) + 1)
        n += len(p)
        views.append(p + 0.5 * np.c_[(37 * k) % 101 / 101 - 0.5, (53 * k) % 103 / 103 - 0.5])
    flags = cv2.CALIB_FIX_ASPECT_RATIO | cv2.CALIB_FIX_K3 | cv2.CALIB_USE_INTRINSIC_GUESS
    guess = np.array([[1300.0, 0, 960], [0, 1300.0, 540], [0, 0, 1]])
    criteria = (cv2.TERM_CRITERIA_COUNT + cv2.TERM_CRITERIA_EPS, 500, 1e-15)
    # The points are given in single precision by OpenCV's interface: they are rounded to 6e-5 px.
    out = cv2.calibrateCameraExtended(
        [BOARD.astype(np.float32)] * len(views),
        [v.astype(np.float32).reshape(-1, 1, 2) for v in views],
        (1920, 1080), guess, None, flags=flags, criteria=criteria)
    rms, K2, D2, u = out[0], out[1], out[2].ravel(), out[5].ravel()
    print("rms (px, per point)", repr(rms))
    print("f, cx, cy", repr(K2[0, 0]), repr(K2[0, 2]), repr(K2[1, 2]))
    print("k1 k2 p1 p2", [float(d) for d in D2[:4]])
    # The first entry is fx, tied to fy and so without one of its own.
    print("sd f cx cy k1 k2 p1 p2", [float(x) for x in u[1:8]])


main()
