/** The id of the practice that this page belongs to; "" where it serves a real ledger. */
export const practice = document.documentElement.dataset.practice ?? "";
