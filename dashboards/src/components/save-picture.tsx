import { useState } from 'preact/hooks';
import type { SvgNode } from '../../../host/charts/index.ts';
import { type PictureKind, savePicture } from '../charts/picture-file.ts';
import { sentence } from '../text/sentence.ts';

export interface SavePictureProps {
  /** What it shows; the file is named by it. */
  readonly title: string;
  /** With title and units in it. @returns undefined where there is nothing to draw */
  readonly drawing: () => SvgNode | undefined;
}

/** Two buttons below a picture, by which it becomes a file. */
export function SavePicture({ title, drawing }: SavePictureProps) {
  const [problem, setProblem] = useState('');
  const save = async (kind: PictureKind): Promise<void> => {
    try {
      const drawn = drawing();
      if (!drawn) throw new Error('there is nothing to draw yet');
      await savePicture(drawn, kind, title);
      setProblem('');
    } catch (error) {
      setProblem(error instanceof Error ? error.message : String(error));
    }
  };
  return (
    <div class="save-picture">
      <span aria-hidden="true">Save</span>
      {(['svg', 'png'] as const).map((kind) => (
        <button key={kind} type="button" aria-label={`${kind.toUpperCase()} of ${title}`} onClick={() => void save(kind)}>
          {kind.toUpperCase()}
        </button>
      ))}
      <span role="status">{problem !== '' && `Not saved: ${sentence(problem)}`}</span>
    </div>
  );
}
