import type { ComponentType } from 'preact';
import { useCallback, useEffect, useState } from 'preact/hooks';
import type { Late } from './late.ts';
import { roomMessages as text } from './roomMessages.ts';

/** A component that is fetched when it is first shown. It says so as long as that lasts, or that it failed. */
export function part<P extends object>(piece: Late<ComponentType<P>>): ComponentType<P> {
  return function Part(props: P) {
    const [fault, setFault] = useState('');
    const [, setHere] = useState(false);
    const want = useCallback(() => {
      setFault('');
      piece.get().then(
        () => setHere(true),
        (why: Error) => setFault(why.message),
      );
    }, []);
    useEffect(want, [want]);
    const { here: Here } = piece;
    if (Here !== undefined) return <Here {...props} />;
    return (
      <>
        <p role="status">{fault === '' && text.fetching}</p>
        <p role="alert" class="alarm">
          {fault}
        </p>
        {fault !== '' && (
          <p>
            <button
              type="button"
              onClick={({ currentTarget }) => {
                // This button goes; the focus stays in its panel, where it was when that was opened.
                currentTarget.closest('dialog')?.querySelector('button')?.focus();
                want();
              }}
            >
              {text.fetchAgain}
            </button>
          </p>
        )}
      </>
    );
  };
}
