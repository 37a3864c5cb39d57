export { type Choice, choicesOf, repliesTo } from './choice.ts';
export { ExamRoom } from './ExamRoom.tsx';
export { english, type Messages } from './messages.ts';
export * from './models.ts';
export * from './records.ts';
export { recordsMessages } from './recordsMessages.ts';
export * from './room.ts';
export { type Standing, standingOf } from './standing.ts';
export { bedsideOrder, tableOf } from './table.ts';
