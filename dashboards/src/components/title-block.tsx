/** The head of the page, in the manner of a drawing's title block: what range, what rig, what session, what time. */
import { rig, session } from '../state/live-state.ts';
import { theme, units } from '../state/preferences.ts';
import { ConnectionCell } from './connection-cell.tsx';
import { Segmented } from './segmented.tsx';
import { SessionClock } from './session-clock.tsx';
import { SoundSwitch } from './sound-switch.tsx';

const UNIT_OPTIONS = [
  { value: 'SI', label: 'SI' },
  { value: 'US', label: 'US' },
] as const;
const THEME_OPTIONS = [
  { value: 'auto', label: 'Auto' },
  { value: 'light', label: 'Sun' },
  { value: 'dark', label: 'Dark' },
] as const;

export function TitleBlock() {
  const drawn = rig.value;
  return (
    <header class="title-block">
      <h1>
        Postern <small>{drawn ? `${drawn.site} · ${drawn.name}` : 'waiting for the host'}</small>
      </h1>
      <dl class="cells">
        <div class="wide-only">
          <dt>Projectile</dt>
          <dd>{drawn?.projectile.name ?? '–'}</dd>
        </div>
        <div>
          <dt>Session</dt>
          <dd>{session.value?.sessionId ?? '–'}</dd>
        </div>
        <SessionClock />
        <ConnectionCell />
      </dl>
      <div class="choices">
        <Segmented legend="Units" name="units" options={UNIT_OPTIONS} value={units.value} onChoose={(value) => (units.value = value)} />
        <Segmented legend="Theme" name="theme" options={THEME_OPTIONS} value={theme.value} onChoose={(value) => (theme.value = value)} />
        <SoundSwitch />
      </div>
    </header>
  );
}
