import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Messages } from './messages.ts';
import type { Acts, Room } from './room.ts';

export interface Place {
  readonly room: Room;
  readonly acts: Acts;
  readonly messages: Messages;
}

export const PlaceContext = createContext<Place | undefined>(undefined);

/** @throws Error outside of an exam room */
export function usePlace(): Place {
  const place = useContext(PlaceContext);
  if (place === undefined) throw new Error('a part of the page stands outside the exam room');
  return place;
}
