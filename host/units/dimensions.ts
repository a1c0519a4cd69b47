/** What a quantity measures. A level and a difference are two things for temperature, because °C and °F have offsets. */
export type Dimension =
  | 'length'
  | 'mass'
  | 'time'
  | 'pressure'
  | 'temperature'
  | 'temperatureDifference'
  | 'volume'
  | 'frequency'
  | 'speed'
  | 'ratio'
  | 'energy'
  | 'momentum'
  | 'density'
  | 'angle'
  | 'resistance'
  | 'voltage'
  | 'current'
  | 'pictureLength'
  | 'pressureRate'
  | 'temperatureRate';

/** How a sentence names the dimension. */
export const DIMENSION_NAMES: Readonly<Record<Dimension, string>> = {
  length: 'a length',
  mass: 'a mass',
  time: 'a time',
  pressure: 'a pressure',
  temperature: 'a temperature',
  temperatureDifference: 'a temperature difference',
  volume: 'a volume',
  frequency: 'a frequency',
  speed: 'a speed',
  ratio: 'a ratio',
  energy: 'an energy',
  momentum: 'a momentum',
  density: 'a density',
  angle: 'an angle',
  resistance: 'a resistance',
  voltage: 'a voltage',
  current: 'a current',
  pictureLength: 'a length in a picture',
  pressureRate: 'a rate of pressure',
  temperatureRate: 'a rate of temperature',
};
