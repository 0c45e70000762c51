import { useEffect, useState } from "preact/hooks";

const wide = "(min-width: 60rem)";

/** Whether there is room for a sheet of rows; a phone gets one stone at a time. */
export function useDesk(): boolean {
  const [desk, setDesk] = useState(() => matchMedia(wide).matches);
  useEffect(() => {
    const query = matchMedia(wide);
    const look = (): void => setDesk(query.matches);
    query.addEventListener("change", look);
    return () => query.removeEventListener("change", look);
  }, []);
  return desk;
}
