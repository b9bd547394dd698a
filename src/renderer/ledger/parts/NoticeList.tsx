import type { Notice } from "../../../shared/quantity/notice.ts";
import { Worded } from "../../guide/Worded.tsx";
import { numbersHeld } from "./sentences.ts";

/** Notices with their remedy; danger is the only red. */
export function NoticeList({ notices }: { readonly notices: readonly Notice<string>[] }) {
  if (notices.length === 0) return null;
  return (
    <ul className="notices">
      {notices.map((notice) => (
        <li key={notice.code + notice.cause} className={`notice ${notice.level}`}>
          <span>
            <Worded text={numbersHeld(notice.cause)} />
          </span>{" "}
          <span className="remedy">
            <Worded text={numbersHeld(notice.remedy)} />
          </span>
        </li>
      ))}
    </ul>
  );
}
