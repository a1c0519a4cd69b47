export type { Axis, BandLayer, Chart, ChartPoint, Layer, LineLayer, Look, PointLayer, RuleLayer } from './chart.ts';
export { dragChart } from './drag-chart.ts';
export { type ChartSize, drawChart } from './draw-chart.ts';
export { flightChart } from './flight-chart.ts';
export { mapChart } from './map-chart.ts';
export { pressureChart } from './pressure-chart.ts';
export { rangePicture } from './range-picture.ts';
export { node, type SvgNode, svgText } from './svg-node.ts';
