/** Gravity by place, m/s². */

/** All places on land, from the equator's mountains to the poles: 9.764 to 9.834 (from memory), as a middle and half a width. */
export const GRAVITY_ANYWHERE = { value: 9.799, halfWidth: 0.035 } as const;
/** What the ground's own density moves it by, beside the formula: 0.5 mm/s² (common practice: anomalies of 50 mGal). */
export const GRAVITY_ANOMALY = 0.5e-3;

/**
 * Normal gravity on the ellipsoid (Somigliana's formula with the constants of WGS 84, NIMA TR8350.2, 3rd ed., eq. (4-1),
 * from memory), less 3.086 µm/s² a metre of height (free-air gradient, from memory).
 * @param latitudeDeg  −90 to 90
 * @param heightM  above the sea
 */
export function localGravityMps2(latitudeDeg: number, heightM: number): number {
  const square = Math.sin((latitudeDeg * Math.PI) / 180) ** 2;
  return (9.7803253359 * (1 + 0.00193185265241 * square)) / Math.sqrt(1 - 0.00669437999013 * square) - 3.086e-6 * heightM;
}
