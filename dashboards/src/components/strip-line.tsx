import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

export interface StripLineProps {
  /** More classes, such as the severity. */
  readonly kind?: string;
  /** What it is about, for who hears the page. */
  readonly about: string;
  readonly mark?: ComponentChildren;
  /** What may be done about it. */
  readonly act?: ComponentChildren;
  readonly children: ComponentChildren;
}

/** One thing in the alarm strip. On a narrow page it is one line until somebody asks for more: several must not hide the page. */
export function StripLine({ kind = '', about, mark, act, children }: StripLineProps) {
  const [isOpen, setOpen] = useState(false);
  return (
    <div class={`alarm ${kind} ${isOpen ? 'is-open' : ''}`}>
      {mark}
      <p>{children}</p>
      <button
        type="button"
        class="unfold"
        aria-expanded={isOpen}
        aria-label={`${isOpen ? 'Less' : 'More'} of: ${about}`}
        onClick={() => setOpen(!isOpen)}
      >
        {isOpen ? '−' : '+'}
      </button>
      {act}
    </div>
  );
}
