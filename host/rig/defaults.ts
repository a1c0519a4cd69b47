/**
 * What a rig file may leave out, in the file's own words. docs/rig-file.md shows the same; a test holds them equal.
 * The assumed air is the sea-level standard atmosphere, so wide that a Mach number from it is of little use: who wants
 * better states what air the range has.
 */
export const DEFAULTS = {
  delay: '0 us ± 0.5 us',
  jitter: '0.2 us',
  squareness: '± 1 deg',
  sideways: '± 5 mm',
  tape: '± 100 ppm rect',
  tailwind: '0 m/s ± 4 m/s',
  boardKind: 'gate-board',
  captureDelay: '0 us ± 62.5 ns rect',
  captureJitter: '0 ns',
  softwareDelay: '5 us ± 5 us rect',
  softwareJitter: '2 us',
  firmataBaudRate: 57_600,
  samplingInterval: '50 ms',
  analogBits: 10,
  separator: ',',
  pollEvery: '1 s',
  cameraScale: '± 0.1 %',
  cameraSquareness: '± 3 deg',
  cameraMarking: '± 1 px',
  limitFor: '0 s',
  limitSeverity: 'alarm',
  decisionRule: 'guarded',
  agreementRule: 'plain',
  cameraAgreementRule: 'plain',
  airTemperature: '15 °C ± 30 K',
  airPressure: '1013.25 hPa absolute ± 15 kPa',
  airHumidity: '50 % ± 50 % rect',
  airStaleAfter: '120 s',
} as const;
