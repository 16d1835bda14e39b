export { openLibrary, queueFor, randomId, watchPage } from './browser';
export { type HistoryStore, openHistories } from './history-store';
export { createMemoryStore, type MemoryStoreOptions } from './memory';
export { createSaveQueue, type QueueDeps } from './queue';
export * from './types';
