import { createContext } from "preact";
import { useContext } from "preact/hooks";
import { savePhoto } from "../sync/commands";

/** Where a form's photos go: into the queue, if nothing above says otherwise. */
export const PhotoKeeping = createContext<(photo: Blob) => Promise<string>>(savePhoto);

export const usePhotoKeeping = (): ((photo: Blob) => Promise<string>) => useContext(PhotoKeeping);
