/** The air: its inputs with their age and doubts, and what follows from them. */
import { formatParts } from '../../../host/units/index.ts';
import type { WeatherRole } from '../../../protocol/index.ts';
import { channelNow } from '../state/channel-now.ts';
import { units } from '../state/preferences.ts';
import { weather } from '../state/watches.ts';
import { WEATHER_FLAG_WORDS } from '../text/health-words.ts';
import { oneLine } from '../text/result-text.ts';
import { Fact } from './fact.tsx';
import { Reading } from './reading.tsx';

/** The air comes seldom and changes slowly. Its watch knows better and marks an input stale. */
const AIR_STALE_S = 30;

const INPUTS = [
  { role: 'airTemperature', name: 'Temperature', kind: 'temperature' },
  { role: 'airPressure', name: 'Pressure', reference: 'absolute', kind: 'airPressure' },
  { role: 'airHumidity', name: 'Humidity', kind: 'humidity' },
] as const;

export function WeatherPanel() {
  const told = weather.value;
  const system = units.value;
  return (
    <section class="panel weather-panel" id="weather" aria-labelledby="weather-title">
      <h2 id="weather-title">Weather</h2>
      <dl class="readings air">
        {INPUTS.map(({ role, ...shown }) => (
          <Reading key={role} {...shown} now={channelNow(role)} staleAfterS={AIR_STALE_S} size="small" />
        ))}
      </dl>
      <Flags />
      {told && (
        <>
          <dl class="facts">
            <Fact name="Air density">
              {told.densityKgM3
                ? oneLine(formatParts(told.densityKgM3.value, told.densityKgM3.expandedUncertainty, 'density', system))
                : 'needs three fit and fresh readings'}
            </Fact>
            <Fact name="Speed of sound">
              {told.speedOfSoundMps
                ? oneLine(formatParts(told.speedOfSoundMps.value, told.speedOfSoundMps.expandedUncertainty, 'velocity', system))
                : 'needs three fit and fresh readings'}
            </Fact>
          </dl>
          {told.inputs.some(({ flags }) => flags.length > 0) && <p class="detail">{told.words}</p>}
        </>
      )}
    </section>
  );
}

/** One line for each doubt; none for good air. */
function Flags() {
  const doubts = (weather.value?.inputs ?? []).flatMap(({ role, flags }) => flags.map((flag) => ({ role, flag })));
  if (doubts.length === 0) return null;
  return (
    <ul class="air-flags" aria-label="Doubts about the air">
      {doubts.map(({ role, flag }) => (
        <li key={`${role} ${flag}`}>
          <strong>{nameOf(role)}:</strong> {WEATHER_FLAG_WORDS[flag]}
        </li>
      ))}
    </ul>
  );
}

const nameOf = (role: WeatherRole): string => INPUTS.find((input) => input.role === role)?.name ?? role;
