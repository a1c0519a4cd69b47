import { Age, isOld } from './age.tsx';

export interface PhaseLineProps {
  /** Of what, for those who do not see where it stands. */
  readonly name: string;
  readonly phase: string;
  readonly sinceNs: number;
  /** When it was last said. */
  readonly atNs: number;
}

/** A watch speaks five times a second while its channel does. */
const OLD_AFTER_S = 3;

/** What is going on, in large words, and since when. A change is spoken; the time is not. */
export function PhaseLine({ name, phase, sinceNs, atNs }: PhaseLineProps) {
  const old = isOld(atNs, OLD_AFTER_S);
  return (
    <p class="phase">
      <strong role="status">
        <span class="for-ears">{name}: </span>
        {phase}
      </strong>{' '}
      <Age atNs={sinceNs} before="for " />
      {old && (
        <>
          {' '}
          <strong class="old-word">OLD</strong> <Age atNs={atNs} before="last heard " after=" ago" />
        </>
      )}
    </p>
  );
}
