import { useState } from 'preact/hooks';
import { CameraChecks } from '../components/camera-checks.tsx';
import { MarkingPanel } from '../components/marking-panel.tsx';
import { rig } from '../state/live-state.ts';
import { clearMarks } from '../state/marking.ts';
import { shots, shown } from '../state/shots.ts';

const OFFERED = 20;

/** A camera's speed against the gates': what is kept of a shot, and marking its stills. */
export function CameraPage() {
  const cameras = rig.value?.cameras ?? [];
  const [shotId, setShotId] = useState('');
  const [cameraName, setCameraName] = useState('');
  const shot = shots.value.find(({ id }) => id === shotId) ?? shown.value;
  const camera = cameras.find(({ name }) => name === cameraName) ?? cameras[0];
  return (
    <>
      <section class="panel" aria-labelledby="camera-title">
        <h2 id="camera-title">Camera against gates</h2>
        {shot ? (
          <>
            <div class="entry">
              <label>
                Shot
                <select
                  value={shot.id}
                  onChange={(event) => {
                    setShotId(event.currentTarget.value);
                    clearMarks();
                  }}
                >
                  {shots.value.slice(0, OFFERED).map(({ id, number, firedAt }) => (
                    <option key={id} value={id}>
                      {number}, {firedAt.slice(11, 19)}
                    </option>
                  ))}
                </select>
              </label>
              {cameras.length > 1 && (
                <label>
                  Camera
                  <select
                    value={camera?.name}
                    onChange={(event) => {
                      setCameraName(event.currentTarget.value);
                      clearMarks();
                    }}
                  >
                    {cameras.map(({ name }) => (
                      <option key={name}>{name}</option>
                    ))}
                  </select>
                </label>
              )}
            </div>
            <CameraChecks shot={shot} />
          </>
        ) : (
          <p class="empty">No shot in this session yet.</p>
        )}
        {!camera && (
          <p class="notice">The rig file names no camera: describe it and its marks there, then its stills can be marked here.</p>
        )}
      </section>
      {shot && camera && <MarkingPanel shot={shot} camera={camera} />}
    </>
  );
}
