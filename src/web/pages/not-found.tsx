import { Opening } from "../parts/page.tsx";

export default function NotFound() {
  return (
    <Opening title="No such page">
      Nothing in this book has this address. <a href="/">Back to the first page.</a>
    </Opening>
  );
}
