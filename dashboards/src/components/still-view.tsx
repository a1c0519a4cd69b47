/** One still, to be marked by pointer, touch or keyboard, with a glass over the cross. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { PicturePoint } from '../../../protocol/index.ts';
import { BALL, balls, cross, current, marks, setPlace, target } from '../state/marking.ts';
import { drawGlass, drawStill } from './still-drawing.ts';

/** px of the picture for each arrow. */
const STEPS: readonly { readonly label: string; readonly px: number }[] = [
  { label: '10', px: 10 },
  { label: '1', px: 1 },
  { label: '0.1', px: 0.1 },
];
const ARROWS = [
  { key: 'ArrowLeft', sign: '←', words: 'left', dx: -1, dy: 0 },
  { key: 'ArrowUp', sign: '↑', words: 'up', dx: 0, dy: -1 },
  { key: 'ArrowDown', sign: '↓', words: 'down', dx: 0, dy: 1 },
  { key: 'ArrowRight', sign: '→', words: 'right', dx: 1, dy: 0 },
] as const;

export function StillView({ onProblem }: { readonly onProblem: (problem: string) => void }) {
  const [decoded, setDecoded] = useState<{ readonly of: File; readonly bitmap: ImageBitmap }>();
  const [step, setStep] = useState(1);
  const view = useRef<HTMLCanvasElement>(null);
  const glass = useRef<HTMLCanvasElement>(null);
  const file = current.value?.file;

  useEffect(() => {
    let isGone = false;
    let made: ImageBitmap | undefined;
    if (!file) return undefined;
    createImageBitmap(file).then(
      (bitmap) => {
        if (isGone) return bitmap.close();
        made = bitmap;
        const { xPx, yPx } = cross.peek();
        if (xPx === 0 && yPx === 0) cross.value = { xPx: bitmap.width / 2, yPx: bitmap.height / 2 };
        setDecoded({ of: file, bitmap });
      },
      () => onProblem(`${file.name} cannot be read as a picture; save it again as PNG or JPEG.`),
    );
    return () => {
      isGone = true;
      made?.close();
    };
  }, [file]);

  // That of the still before is closed, and must not be drawn any more.
  const bitmap = decoded?.of === file ? decoded?.bitmap : undefined;
  const place = cross.value;
  const shown = {
    cross: place,
    marks: marks.value,
    ball: current.value?.frame === undefined ? undefined : balls.value.get(current.value.frame),
  };
  useEffect(() => {
    if (bitmap && view.current) drawStill(view.current, bitmap, shown);
    if (bitmap && glass.current) drawGlass(glass.current, bitmap, place);
  });

  if (!file) return null;
  const inPicture = ({ xPx, yPx }: PicturePoint): PicturePoint => ({
    xPx: round(Math.min(Math.max(0, xPx), bitmap?.width ?? 0)),
    yPx: round(Math.min(Math.max(0, yPx), bitmap?.height ?? 0)),
  });
  const move = (dx: number, dy: number) => {
    cross.value = inPicture({ xPx: place.xPx + dx * step, yPx: place.yPx + dy * step });
  };
  const set = () => onProblem(setPlace(cross.peek()) ? '' : 'Enter this still’s frame number first.');
  const point = (event: PointerEvent & { readonly currentTarget: HTMLCanvasElement }) => {
    const box = event.currentTarget.getBoundingClientRect();
    const scale = (bitmap?.width ?? 0) / box.width;
    cross.value = inPicture({ xPx: (event.clientX - box.left) * scale, yPx: (event.clientY - box.top) * scale });
  };
  const press = (event: KeyboardEvent) => {
    const arrow = ARROWS.find(({ key }) => key === event.key);
    if (arrow) move(arrow.dx, arrow.dy);
    else if (event.key === 'Enter' || event.key === ' ') set();
    else return;
    event.preventDefault();
  };
  const what = target.value === BALL ? 'ball' : target.value;
  return (
    <div class="still">
      <div
        class="still-keys"
        role="application"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a picture that is marked by arrow keys has to be reachable by them
        tabIndex={0}
        aria-label={`Still ${file.name}: arrows move the cross, Enter marks ${what}`}
        onKeyDown={press}
      >
        <canvas
          ref={view}
          onPointerDown={(event) => {
            event.currentTarget.setPointerCapture(event.pointerId);
            point(event);
          }}
          onPointerMove={(event) => {
            if (event.buttons > 0) point(event);
          }}
        />
      </div>
      <div class="still-side">
        <canvas ref={glass} class="glass" width={200} height={200} />
        <p class="figures" aria-live="polite">
          x {place.xPx.toFixed(1)} px, y {place.yPx.toFixed(1)} px
        </p>
        <div class="nudges">
          {ARROWS.map(({ sign, words, dx, dy }) => (
            <button key={words} type="button" aria-label={`Cross ${words}`} onClick={() => move(dx, dy)}>
              {sign}
            </button>
          ))}
        </div>
        <fieldset class="segmented">
          <legend>Step, px</legend>
          {STEPS.map(({ label, px }) => (
            <label key={label} class={px === step ? 'chosen' : ''}>
              <input type="radio" name="step" checked={px === step} onChange={() => setStep(px)} />
              <span>{label}</span>
            </label>
          ))}
        </fieldset>
        <button type="button" class="set-place" onClick={set} disabled={!bitmap}>
          Mark {what} here
        </button>
      </div>
    </div>
  );
}

/** A tenth of a picture element is finer than any eye. */
const round = (px: number): number => Math.round(px * 10) / 10;
