"""Water from 0 to 100 °C at atmospheric pressure: density, heat, viscosity, vapour, and gases dissolved in it."""

from math import exp

ZERO_C = 273.15
KJ_KG_K = 4.184
G_MOL = 18.015268

_ENTHALPY = (0.070822492, 4.214473, -1.1580663e-3, 1.6936878e-5, -1.1601358e-7, 3.8308649e-10)
_VISCOSITY = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
_VAPOUR = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)
_CRITICAL_K = 647.096
_CRITICAL_KPA = 22064.0
_HENRY = {"CO2": (-8.55445, 4.01195, 9.52345), "O2": (-9.44833, 4.43822, 11.42005)}


def density(*, temp_c: float) -> float:
    """Density of water at atmospheric pressure [kg/L].

    Formula: Kell's rational polynomial in temperature. Range 0 to 100 [°C]. Source: kell-1975.
    Example: 20 °C is 0.99821 kg/L.
    """
    t = temp_c
    top = 16.945176 * t + 999.83952
    top += -7.9870401e-3 * t**2 - 46.170461e-6 * t**3 + 105.56302e-9 * t**4 - 280.54253e-12 * t**5
    return top / (1.0 + 16.879850e-3 * t) / 1000.0


def enthalpy(*, temp_c: float) -> float:
    """Enthalpy of liquid water at atmospheric pressure, from 0 °C [kJ/kg].

    Formula: fifth-order polynomial in temperature fitted to IAPWS-IF97. Range 0 to 100 [°C].
    Source: iapws-if97. Example: 65 °C is 272.2 kJ/kg.
    """
    total = 0.0
    for factor in reversed(_ENTHALPY):
        total = total * temp_c + factor
    return total


def viscosity(*, temp_c: float) -> float:
    """Dynamic viscosity of water [mPa s].

    Formula: four powers of T / 300 K (IAPWS SR6-08, liquid water at 0.1 MPa). Range 0 to 100 [°C].
    Source: iapws-sr6. Example: 20 °C is 1.0016 mPa s.
    """
    ratio = (temp_c + ZERO_C) / 300.0
    return sum([factor * ratio**power for factor, power in _VISCOSITY]) / 1000.0


def vapour_pressure(*, temp_c: float) -> float:
    """Pressure of saturated water vapour [kPa].

    Formula: Wagner and Pruss's six-term equation. Range 0 to 100 [°C]. Source: iapws-sr1.
    Example: 20 °C is 2.339 kPa.
    """
    kelvin = temp_c + ZERO_C
    left = 1.0 - kelvin / _CRITICAL_K
    total = sum([factor * left**power for factor, power in _VAPOUR])
    return _CRITICAL_KPA * exp(_CRITICAL_K / kelvin * total)


def henry(*, gas: str, temp_c: float) -> float:
    """Henry's constant of `gas` ("CO2" or "O2") in water [kPa per mole fraction].

    Formula: ln(k / vapour pressure) = A / Tr + B (1 - Tr)^0.355 / Tr + C Tr^-0.41 exp(1 - Tr). Range 1 to 100 [°C].
    Source: iapws-g7. Example: CO2 at 25 °C is 1.656e5 kPa.
    """
    a, b, c = _HENRY[gas]
    ratio = (temp_c + ZERO_C) / _CRITICAL_K
    left = 1.0 - ratio
    logarithm = a / ratio + b * left**0.355 / ratio + c * ratio**-0.41 * exp(left)
    return vapour_pressure(temp_c=temp_c) * exp(logarithm)
