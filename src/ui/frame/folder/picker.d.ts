// What Chromium has besides what the types of the DOM know (WICG File System Access).
interface Window {
  showDirectoryPicker?: (options?: {
    readonly id?: string;
    readonly mode?: 'read' | 'readwrite';
  }) => Promise<FileSystemDirectoryHandle>;
}
interface FileSystemHandle {
  queryPermission?: (what: { readonly mode: 'readwrite' }) => Promise<PermissionState>;
  requestPermission?: (what: { readonly mode: 'readwrite' }) => Promise<PermissionState>;
}
