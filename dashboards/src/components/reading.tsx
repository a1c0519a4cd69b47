/** One present number, with what it is, its uncertainty, its unit and its age; a word in its place where it is none. */
import { formatParts, type QuantityKind } from '../../../host/units/index.ts';
import type { ChannelNow } from '../state/channel-now.ts';
import { units } from '../state/preferences.ts';
import { HEALTH_MEANING, HEALTH_WORD } from '../text/health-words.ts';
import { Age, isOld } from './age.tsx';

export interface ReadingProps {
  readonly name: string;
  /** `absolute`, `gauge`: what the number is counted from. */
  readonly reference?: string;
  readonly kind: QuantityKind;
  readonly now: ChannelNow;
  readonly staleAfterS: number;
  readonly size: 'large' | 'small';
  readonly missing?: string;
  readonly accent?: 'reservoir' | 'barrel';
}

export function Reading({ name, reference, kind, now, staleAfterS, size, missing = 'no reading yet', accent }: ReadingProps) {
  const { si, expandedSi, atNs, health } = now;
  const { value, uncertainty, symbol } = formatParts(si ?? Number.NaN, expandedSi, kind, units.value);
  const there = si !== undefined && atNs !== undefined;
  const unfit = health !== 'healthy' && health !== 'waiting';
  const old = isOld(atNs, staleAfterS) || now.isStale;
  return (
    <div class={`reading ${size} ${accent ?? ''} ${there && old ? 'old' : ''}`}>
      <dt>
        {name} {reference !== undefined && <strong class="reference">{reference}</strong>}
      </dt>
      <dd>
        {unfit ? (
          <span class="unfit">{HEALTH_WORD[health]}</span>
        ) : (
          <>
            <span class="number figures">{value}</span> {/* In one piece: a unit alone on a line is taken for another number's. */}
            <span class="unbroken">
              {uncertainty !== '' && <span class="uncertainty figures">± {uncertainty}</span>}
              {uncertainty !== '' && ' '}
              <span class="symbol">{symbol}</span>
            </span>
          </>
        )}
        <span class="note">
          {there ? (
            <>
              {old && <strong class="old-word">OLD</strong>}
              <Age atNs={atNs} before="age " />
            </>
          ) : HEALTH_MEANING[health] === '' || health === 'waiting' ? (
            missing
          ) : (
            HEALTH_MEANING[health]
          )}
        </span>
      </dd>
    </div>
  );
}
