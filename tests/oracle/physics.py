#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The formulas of `calc` against python3-fluids and python3-scipy."""

import math
import os
import sys

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "support"))

from fluids.atmosphere import ATMOSPHERE_1976
from fluids.drag import drag_sphere, v_terminal
from fluids.filters import square_edge_screen
from fluids.friction import Churchill_1977, Colebrook
from fluids.packed_bed import Ergun
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from oracle import Oracle, calc

GRAVITY = 9.80665
BOARDS = (0.05, 0.1, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65)


def atmosphere(oracle):
    """Its density is an ideal gas's; ours knows compressibility, 0.07 % at most."""
    for elevation in (-1000, 0, 300, 762, 1200, 1829, 2500, 3048, 4000, 5500, 9000, 12000, 18000):
        theirs = ATMOSPHERE_1976(elevation)
        ours = calc("air", elevation=f"{elevation} m")
        oracle.close(f"temperature at {elevation} m", ours["temperature_k"], theirs.T, 1e-6)
        oracle.close(f"pressure at {elevation} m", ours["pressure_pa"], theirs.P, 1e-5)
        oracle.close(f"viscosity at {elevation} m", ours["viscosity_pa_s"], theirs.mu, 1e-4)
        oracle.close(f"density at {elevation} m", ours["density_kg_m3"], theirs.rho, 7e-4)


def sphere_drag(oracle):
    """The same law exactly, and another fit of the standard curve (Clift, Grace & Weber)."""
    for reynolds in (0.01, 0.1, 0.7, 3, 15, 60, 250, 1000, 8000, 50000):
        ours = calc("drag", reynolds=reynolds)["drag_coefficient"]
        theirs = drag_sphere(reynolds, Method="Haider_Levenspiel")
        oracle.close(f"Haider-Levenspiel at {reynolds}", ours, theirs, 1e-9)
        ours = calc("drag", reynolds=reynolds, law="brown_lawler")["drag_coefficient"]
        theirs = drag_sphere(reynolds, Method="Clift")
        oracle.close(f"standard curve at {reynolds}", ours, theirs, 0.06)


def sphere_settling(oracle):
    """Theirs is another fit: both lie within 6 % of the standard curve in drag, which is 5 % in
    velocity."""
    for density in (2650, 5180, 11340, 19300):
        for diameter in (2e-5, 1e-4, 3e-4, 1e-3, 3e-3):
            theirs = v_terminal(D=diameter, rhop=density, rho=1.204, mu=1.81e-5)
            for law in ("haider_levenspiel", "brown_lawler"):
                ours = calc(
                    "settle",
                    diameter=f"{diameter} m",
                    density=f"{density} kg/m3",
                    gas_density="1.204 kg/m3",
                    viscosity="1.81e-5 Pa s",
                    law=law,
                )
                what = f"{law} sphere {diameter} m, {density} kg/m3"
                oracle.close(what, ours["velocity_m_s"], theirs, 0.05)


def haider_levenspiel(reynolds, phi):
    a = math.exp(2.3288 - 6.4581 * phi + 2.4486 * phi**2)
    b = 0.0964 + 0.5565 * phi
    c = math.exp(4.905 - 13.8944 * phi + 18.4222 * phi**2 - 10.2599 * phi**3)
    d = math.exp(1.4681 + 12.2584 * phi - 20.7322 * phi**2 + 15.8855 * phi**3)
    return 24 / reynolds * (1 + a * reynolds**b) + c / (1 + d / reynolds)


def hoelzer_sommerfeld(reynolds, phi, crosswise):
    return (
        8 / reynolds / math.sqrt(crosswise)
        + 16 / reynolds / math.sqrt(phi)
        + 3 / math.sqrt(reynolds) / phi**0.75
        + 0.42 * 10 ** (0.4 * (-math.log10(phi)) ** 0.2) / crosswise
    )


def disc_settling(oracle):
    """The equations of the papers written out here, their root by scipy."""
    gas, viscosity, density = 1.05, 1.83e-5, 17000
    for ratio in (0.05, 0.2, 0.6):
        for diameter in (8e-5, 2.5e-4, 1.2e-3):
            volume_diameter = diameter * (1.5 * ratio) ** (1 / 3)
            phi = (1.5 * ratio) ** (2 / 3) / (0.5 + ratio)
            crosswise = (1.5 * ratio) ** (2 / 3)
            weight = (density - gas) * GRAVITY * math.pi / 6 * volume_diameter**3
            laws = {
                "haider_levenspiel": lambda re: haider_levenspiel(re, phi),
                "hoelzer_sommerfeld": lambda re: hoelzer_sommerfeld(re, phi, crosswise),
            }
            for law, coefficient in laws.items():

                def excess(speed):
                    reynolds = gas * speed * volume_diameter / viscosity
                    area = math.pi / 4 * volume_diameter**2
                    return gas / 2 * speed**2 * coefficient(reynolds) * area - weight

                theirs = brentq(excess, 1e-6, 1e3, xtol=1e-14, rtol=1e-12)
                ours = calc(
                    "settle",
                    diameter=f"{diameter} m",
                    thickness_ratio=ratio,
                    density=f"{density} kg/m3",
                    gas_density=f"{gas} kg/m3",
                    viscosity=f"{viscosity} Pa s",
                    law=law,
                )
                what = f"{law} disc {diameter} m, {ratio}"
                oracle.close(what, ours["velocity_m_s"], theirs, 1e-8)


def beds(oracle):
    for diameter in (1e-4, 9e-4, 5e-3):
        for voidage in (0.35, 0.48):
            for velocity in (0.02, 0.4, 3.0):
                theirs = Ergun(
                    dp=0.8 * diameter, voidage=voidage, vs=velocity, rho=1.1, mu=1.85e-5, L=0.03
                )
                ours = calc(
                    "bed",
                    velocity=f"{velocity} m/s",
                    diameter=f"{diameter} m",
                    sphericity=0.8,
                    voidage=voidage,
                    depth="30 mm",
                    gas_density="1.1 kg/m3",
                    viscosity="1.85e-5 Pa s",
                )
                what = f"Ergun {diameter} m, {voidage}, {velocity} m/s"
                oracle.close(what, ours["loss_pa"], theirs, 1e-9)


def fluidising(oracle):
    """Ergun's equation of fluids set equal to the weight by scipy."""
    for diameter in (6e-5, 3e-4, 9e-4, 3e-3):
        for voidage in (0.4, 0.5):
            weight = (1 - voidage) * (2650 - 1.1) * GRAVITY
            theirs = brentq(
                lambda u: Ergun(0.75 * diameter, voidage, u, 1.1, 1.85e-5) - weight,
                1e-7,
                50,
                xtol=1e-14,
                rtol=1e-12,
            )
            ours = calc(
                "fluidise",
                diameter=f"{diameter} m",
                density="2650 kg/m3",
                sphericity=0.75,
                voidage=voidage,
                gas_density="1.1 kg/m3",
                viscosity="1.85e-5 Pa s",
            )
            oracle.close(f"fluidising {diameter} m, {voidage}", ours["ergun_m_s"], theirs, 1e-9)


def ducts(oracle):
    for reynolds in (300, 2500, 6000, 3e4, 2e5, 3e6):
        for roughness in (0.0, 1e-3, 0.03):
            ours = calc("duct", reynolds=reynolds, roughness_ratio=roughness)["friction_factor"]
            what = f"friction at {reynolds}, {roughness}"
            oracle.close(what + " (Churchill)", ours, Churchill_1977(reynolds, roughness), 1e-9)
            if reynolds > 5000:  # Churchill's paper: about 3 % from Colebrook in turbulent flow
                oracle.close(what + " (Colebrook)", ours, Colebrook(reynolds, roughness), 0.035)


def boards(oracle):
    """Theirs is the table of another handbook (Blevins), met at its own entries; the two differ
    by up to a tenth between open shares of 0.2 and 0.65, and more beyond (0.97 and 1.1 at 0.7)."""
    for share in BOARDS:
        ours = calc("board", open_share=share)["loss_coefficient"]
        oracle.close(f"board {share}", ours, square_edge_screen(share), 0.11)


def shaken_amplitude(ratio, damping):
    """Half the stroke of x'' + 2 z x' + x = r^2 cos(r t), once the start has died away."""
    rest = 14 / damping
    turn = 2 * math.pi / ratio
    solution = solve_ivp(
        lambda t, y: (y[1], ratio**2 * math.cos(ratio * t) - 2 * damping * y[1] - y[0]),
        (0, rest + 2 * turn),
        (0, 0),
        t_eval=[rest + turn * i / 400 for i in range(400)],
        rtol=1e-9,
        atol=1e-11,
    )
    return (max(solution.y[0]) - min(solution.y[0])) / 2


def shaker(oracle):
    """The equation of motion integrated by scipy."""
    for ratio, damping in ((0.5, 0.2), (1.0, 0.3), (1.6, 0.2), (3.0, 0.4)):
        ours = calc("shake", ratio=ratio, damping=damping)["amplitude_ratio"]
        oracle.close(f"shake {ratio}, {damping}", ours, shaken_amplitude(ratio, damping), 2e-4)


def main():
    oracle = Oracle()
    for part in (
        atmosphere,
        sphere_drag,
        sphere_settling,
        disc_settling,
        beds,
        fluidising,
        ducts,
        boards,
        shaker,
    ):
        part(oracle)
    return oracle.finish()


if __name__ == "__main__":
    sys.exit(main())
