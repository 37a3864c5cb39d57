import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { usePlace } from './context.ts';

/** A panel over the exam; the browser's own dialog holds the focus and gives it back. */
export function Panel({
  title,
  children,
}: {
  readonly title: string;
  readonly children: ComponentChildren;
}) {
  const { room, messages } = usePlace();
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const element = dialog.current;
    element?.showModal();
    return () => element?.close();
  }, []);
  const close = () => {
    // A panel that made room for another one closes too, and must not take that one with it.
    if (dialog.current !== null) room.panel.value = 'none';
  };
  return (
    <dialog ref={dialog} class="panel" aria-labelledby="panel-title" onClose={close}>
      <header>
        <h2 id="panel-title">{title}</h2>
        <button type="button" onClick={close}>
          {messages.text.close}
        </button>
      </header>
      <div class="panel-body">{children}</div>
    </dialog>
  );
}
