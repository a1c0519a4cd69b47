/** The range to scale along the flight line, and below it when each beam was blocked; the same in words. */
import { rangePicture } from '../../../host/charts/index.ts';
import type { RigSummary, Shot } from '../../../protocol/index.ts';
import { svgElement } from '../charts/svg-element.ts';
import { units } from '../state/preferences.ts';
import { EdgeWords } from './edge-words.tsx';
import { SavePicture } from './save-picture.tsx';
import { useWidth } from './use-width.ts';

const FILE_PX = 960;

export interface RangeDrawingProps {
  readonly shot: Shot;
  /** The one that it was fired with. */
  readonly rig: RigSummary;
  /** Unique in the page. */
  readonly id: string;
}

export function RangeDrawing({ shot, rig, id }: RangeDrawingProps) {
  const { element, widthPx } = useWidth();
  const system = units.value;
  const title = `Shot ${shot.number}: range and gates, lengths to scale`;
  return (
    <>
      <h3>
        Range and gates <small>lengths to scale, heights not</small>
      </h3>
      <div ref={element} class="drawing">
        {widthPx > 0 && svgElement(rangePicture(shot, rig, { widthPx, id, system }))}
      </div>
      <EdgeWords shot={shot} gates={rig.gates} />
      <div class="picture-foot">
        <SavePicture title={title} drawing={() => rangePicture(shot, rig, { widthPx: FILE_PX, id: 'saved', system, title })} />
      </div>
    </>
  );
}
