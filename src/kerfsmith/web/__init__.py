"""The web face: pages a browser opens, their fragments, and the API beside them."""
