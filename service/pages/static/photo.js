// Makes a large photo smaller before it is sent; without it the photo goes as it is.
const SIDE = 1600; // px, enough to see a hairline crack on an arm's length of concrete

for (const input of document.querySelectorAll("[data-photo]")) {
  input.addEventListener("change", async () => {
    const file = input.files[0];
    if (!file || file.size < 600000) return;
    try {
      const image = await createImageBitmap(file, { imageOrientation: "from-image" });
      const share = Math.min(1, SIDE / Math.max(image.width, image.height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.round(image.width * share);
      canvas.height = Math.round(image.height * share);
      canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
      const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85));
      if (!blob || blob.size >= file.size || input.files[0] !== file) return;
      const smaller = new DataTransfer();
      smaller.items.add(new File([blob], "photo.jpg", { type: "image/jpeg" }));
      input.files = smaller.files;
    } catch {
      // a kind this browser cannot draw: the server says whether it can be kept
    }
  });
}
