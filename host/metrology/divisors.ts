/** Standard uncertainty of a quantity known only by its bounds; each argument in the quantity's unit, ≥ 0. */

/** Anywhere within ± halfWidth alike. Source: JCGM 100:2008, 4.3.7, eq. (7) */
export const rectangularStandardUncertainty = (halfWidth: number): number => halfWidth / Math.sqrt(3);

/** Within ± halfWidth, likelier towards the middle, such as the sum of two equal rectangles. Source: JCGM 100:2008, 4.3.9, eq. (9b) */
export const triangularStandardUncertainty = (halfWidth: number): number => halfWidth / Math.sqrt(6);

/** Swinging between ± halfWidth as a sine does, such as a cycling temperature. Source: JCGM 100:2008, H.1.3.4; JCGM 101:2008, 6.4.6 */
export const arcsineStandardUncertainty = (halfWidth: number): number => halfWidth / Math.SQRT2;

/** Rounded to the nearest step of a display or counter, step being the least digit's worth. Source: JCGM 100:2008, F.2.2.1 */
export const digitStandardUncertainty = (step: number): number => step / Math.sqrt(12);
