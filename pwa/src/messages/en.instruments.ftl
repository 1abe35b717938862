# The words of instruments, loaded only where one is chosen or listed.

with = With { $name }
with-change = change
with-which = Which { $kind }?
with-standing = With { $name }, { $standing }
instrument-good = checked good { $time }
instrument-due-since = check due since { $time }
instrument-unchecked = not checked yet
instrument-failed = failed its check { $time }
instrument-out = out of use

enter-with = Read with: { $instrument }
instrument-burette = burette
instrument-co2-meter = CO2 meter, gas
instrument-conductivity-meter = conductivity meter
instrument-dissolved-co2-meter = CO2 meter, dissolved
instrument-flow-meter = flow meter
instrument-gas-monitor = gas monitor
instrument-hydrometer = hydrometer
instrument-level-gauge = level gauge
instrument-microscope = microscope
instrument-oxygen-meter = oxygen meter, dissolved
instrument-oxygen-monitor = oxygen monitor, room
instrument-ph-meter = pH meter
instrument-pressure-gauge = pressure gauge
instrument-scales = scales
instrument-seam-gauge = seam gauge
instrument-test-strip = test strip
instrument-thermometer = thermometer
instrument-timer = timer
