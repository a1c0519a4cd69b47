/** Under the boards: is the session also sent to its server of time series? Nothing where it has none. */
import { useEffect } from 'preact/hooks';
import { series, watchSeries } from '../state/series.ts';
import { seriesWords } from '../text/fleet-words.ts';

export function SeriesLine() {
  useEffect(watchSeries, []);
  const now = series.value;
  if (!now) return null;
  return (
    <div class="series-line">
      <p class={now.state === 'sending' ? '' : 'notice'}>
        {seriesWords(now)}
        {now.state !== 'sending' && ' The journal keeps all of it, and it is sent later.'}
      </p>
      {now.warnings.map((warning) => (
        <p key={warning} class="notice">
          {warning}
        </p>
      ))}
      {now.refusals.slice(-1).map(({ line, reason }) => (
        <p key={line} class="notice">
          Refused ({reason}): <code>{line}</code>
        </p>
      ))}
    </div>
  );
}
