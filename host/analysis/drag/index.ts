export { dragCurves } from './drag-curves.ts';
export { GAP_MACH_MAX, SHOTS_FOR_CURVE } from './support.ts';
