export type { FormulaClaim, MoistAir } from './air.ts';
export { airCompressibilityFactor, densityFormula, moistAirDensityKgM3 } from './density.ts';
export { hoernerSphereDrag } from './hoerner-drag.ts';
export { lothSphereDrag, smoothLothDrag } from './loth-drag.ts';
export { monotoneCubic, type ValueAndSlope } from './pchip.ts';
export { speedOfSoundFormula, speedOfSoundMps } from './speed-of-sound.ts';
export { type ReferenceDrag, referenceSphereDrag } from './sphere-drag.ts';
export { dynamicViscosityPaS } from './viscosity.ts';
export { saturationVapourPressurePa, waterVapourMoleFraction } from './water-vapour.ts';
