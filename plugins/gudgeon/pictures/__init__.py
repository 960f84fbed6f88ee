"""Files of pictures: reading them safely, taking everything off them but their pixels, and making the copies that the site shows."""
