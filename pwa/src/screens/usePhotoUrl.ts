import { useEffect, useState } from "preact/hooks";
import { readPhotoBlob } from "../store/catalogue";
import { useLive } from "../store/live";

/** Where a photo can be seen: from this phone if it was taken here, else from the service (`thumb`: small). */
export function usePhotoUrl(sha256: string | null, size: "thumb" | "full"): string | null {
  const blob = useLive(async () => (sha256 === null ? null : readPhotoBlob(sha256)), [sha256]);
  const [local, setLocal] = useState<string | null>(null);
  useEffect(() => {
    if (!blob) {
      setLocal(null);
      return;
    }
    const url = URL.createObjectURL(blob);
    setLocal(url);
    return () => URL.revokeObjectURL(url);
  }, [blob]);
  if (sha256 === null || blob === undefined) return null;
  if (blob !== null) return local;
  return `/api/v1/photos/${sha256}${size === "thumb" ? "/thumb" : ""}`;
}
