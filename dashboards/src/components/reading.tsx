/** One present number, with what it is, its unit and its age; said to be old when it is. */
import { formatParts, type QuantityKind } from '../../../host/units/index.ts';
import { units } from '../state/preferences.ts';
import { Age, isOld } from './age.tsx';

export interface ReadingProps {
  readonly name: string;
  /** `absolute`, `gauge`: what the number is counted from. */
  readonly reference?: string;
  readonly kind: QuantityKind;
  /** undefined where there is none. */
  readonly si: number | undefined;
  readonly atNs: number | undefined;
  readonly staleAfterS: number;
  readonly size: 'large' | 'small';
  readonly missing?: string;
  readonly accent?: 'reservoir' | 'barrel';
}

export function Reading({ name, reference, kind, si, atNs, staleAfterS, size, missing = 'no reading yet', accent }: ReadingProps) {
  const { value, symbol } = formatParts(si ?? Number.NaN, undefined, kind, units.value);
  const there = si !== undefined && atNs !== undefined;
  const old = isOld(atNs, staleAfterS);
  return (
    <div class={`reading ${size} ${accent ?? ''} ${there && old ? 'old' : ''}`}>
      <dt>
        {name} {reference !== undefined && <strong class="reference">{reference}</strong>}
      </dt>
      <dd>
        <span class="number figures">{value}</span> <span class="symbol">{symbol}</span>
        <span class="note">
          {there ? (
            <>
              {old && <strong class="old-word">OLD</strong>}
              <Age atNs={atNs} before="age " />
            </>
          ) : (
            missing
          )}
        </span>
      </dd>
    </div>
  );
}
