/** What is wrong with a transducer, in one word for where its number would stand and a sentence beside it. */
import type { Health, WeatherFlag } from '../../../protocol/index.ts';

export const HEALTH_WORD: Readonly<Record<Health, string>> = {
  waiting: 'waiting',
  healthy: 'healthy',
  stuck: 'STUCK',
  noisy: 'NOISY',
  railed: 'RAILED',
  fault: 'FAULT',
  disconnected: 'DISCONNECTED',
};

export const HEALTH_MEANING: Readonly<Record<Health, string>> = {
  waiting: 'no reading yet',
  healthy: '',
  stuck: 'the same value for longer than its noise allows',
  noisy: 'scatters several times what it did',
  railed: 'at the end of its range',
  fault: 'its loop or instrument reports a fault',
  disconnected: 'silent',
};

export const WEATHER_FLAG_WORDS: Readonly<Record<WeatherFlag, string>> = {
  stale: 'TOO OLD TO USE',
  'in-sun': 'SENSOR IN THE SUN',
  unfit: 'NOT HEALTHY',
  missing: 'NEVER HEARD',
};
