/** The button of a page that is to be printed; its letters are there before it prints. */

const button = document.getElementById("print");
button?.addEventListener("click", async () => {
  await document.fonts.ready;
  print();
});
