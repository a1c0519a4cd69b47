/** How a rig file begins that has Heron's launcher and boards of its own. */
export const launcherText = (name: string): string => `rig: 1
name: ${name}
site: Cold Sike
projectile: { name: polyamide ball 60 mm, diameter: 59.80 mm ± 0.05 mm, mass: 126.0 g ± 0.2 g }
reservoir: { gas: nitrogen, volume: 45 L, ratedPressure: 4.0 MPa gauge, maximumFill: 3.8 MPa gauge }
barrel: { bore: 60 mm, length: 5.5 m }
target: 11.000 m ± 5 mm
`;
