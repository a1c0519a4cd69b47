/** One known state: what it should read there, what it does read, and taking that. */
import { useState } from 'preact/hooks';
import { DISPLAY, formatParts } from '../../../host/units/index.ts';
import type { ChannelSummary } from '../../../protocol/index.ts';
import type { KnownPoint } from '../state/adjusting.ts';
import { channelNow } from '../state/channel-now.ts';
import { units } from '../state/preferences.ts';
import { readAs } from '../state/read-as.ts';
import { kindOf } from '../text/channel-kind.ts';
import { numberOf, siOf } from '../text/entered.ts';
import { HEALTH_WORD } from '../text/health-words.ts';
import { useSteadyReading } from './use-steady-reading.ts';

export interface AdjustPointProps {
  readonly channel: ChannelSummary;
  readonly index: number;
  readonly pointCount: number;
  readonly onTaken: (point: KnownPoint) => void;
}

const LEAST_COUNT = 3;

export function AdjustPoint({ channel, index, pointCount, onTaken }: AdjustPointProps) {
  const display = DISPLAY[kindOf(channel)][units.value];
  const { now, reference, baseSi } = readAs(channel);
  const steady = useSteadyReading(channel.name);
  const [text, setText] = useState(() => (pointCount === 1 ? openToAir(channel) : ''));
  const [problem, setProblem] = useState('');
  const unit = [display.symbol, reference].filter((part) => part !== '').join(' ');
  const take = () => {
    const entered = numberOf(text);
    if (entered === undefined) return setProblem('Enter what it should read, as a number.');
    if (!steady || steady.count < LEAST_COUNT)
      return setProblem('There is no steady reading to take. Wait until it reads, or look at its health.');
    if (channel.measures === 'pressure' && reference !== channel.reference) {
      return setProblem('A gauge pressure needs a reading of the air’s pressure: there is none now.');
    }
    onTaken({ shownSi: steady.meanSi - baseSi, shouldReadSi: siOf(display, entered) });
  };
  return (
    <form
      class="entry"
      onSubmit={(event) => {
        event.preventDefault();
        take();
      }}
    >
      <h3>
        Step {index + 1} of {pointCount + 1}:{' '}
        {pointCount === 1 ? 'a known state' : index === 0 ? 'the first known state' : 'a second, well apart'}
      </h3>
      <p class="whole">Bring it there, wait until it stands, and enter what it should read.</p>
      <label>
        It should read, {unit}
        <input type="text" inputMode="decimal" value={text} onInput={(event) => setText(event.currentTarget.value)} />
      </label>
      <dl class="facts whole">
        <div>
          <dt>It reads now</dt>
          <dd class="figures">
            {steady && now.si !== undefined ? (
              <>
                <b>{formatParts(steady.meanSi - baseSi, undefined, kindOf(channel), units.value).value}</b> {unit}, within{' '}
                {display.differenceFromSi(steady.spreadSi).toFixed(display.decimals)} over 3 s
              </>
            ) : (
              `no reading: ${HEALTH_WORD[now.health]}`
            )}
          </dd>
        </div>
      </dl>
      {problem !== '' && (
        <p class="problem whole" role="alert">
          {problem}
        </p>
      )}
      <button type="submit">Take this reading</button>
    </form>
  );
}

/** What an instrument open to the air should read; empty where the air does not say. */
function openToAir(channel: ChannelSummary): string {
  if (channel.measures !== 'pressure' || channel.name === 'airPressure') return '';
  const display = DISPLAY[kindOf(channel)][units.peek()];
  const { reference } = readAs(channel);
  if (reference === 'gauge') return (0).toFixed(display.decimals);
  const air = channelNow('airPressure').si;
  return air === undefined ? '' : display.fromSi(air).toFixed(display.decimals);
}
